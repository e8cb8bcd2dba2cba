// Opens logbook pages in a headless browser and holds them against what a
// page must be: nothing fetched from elsewhere, nothing run, no sideways
// scrolling on a phone, readable by everyone, printable.
// Usage: node check.mjs FILE.html...
import {chromium} from 'playwright-core';
import fs from 'node:fs';
import path from 'node:path';
import {createRequire} from 'node:module';

const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'],
});
let passed = 0, failed = 0;
const check = (what, ok, detail = '') => {
  if (ok) passed++; else failed++;
  console.log(`${ok ? 'ok  ' : 'FAIL'} ${what}${ok || !detail ? '' : ': ' + detail}`);
};

for (const file of process.argv.slice(2)) {
  const url = 'file://' + path.resolve(file);
  const name = path.basename(path.dirname(path.resolve(file))) + '/' + path.basename(file);
  for (const [device, width, height, scripts] of [['desk', 1200, 900, true], ['phone', 390, 844, true], ['small phone', 320, 640, true], ['phone, scripts off', 390, 844, false]]) {
    const context = await browser.newContext({viewport: {width, height}, javaScriptEnabled: scripts});
    const page = await context.newPage();
    const asked = [], said = [];
    page.on('request', r => { if (!r.url().startsWith('file:') && !r.url().startsWith('data:')) asked.push(r.url()); });
    page.on('console', m => said.push(m.text()));
    page.on('pageerror', e => said.push(String(e)));
    await page.goto(url);
    check(`${name}, ${device}: fetches nothing from elsewhere`, asked.length === 0, asked.join(' '));
    check(`${name}, ${device}: no complaint`, said.length === 0, said.join(' | '));
    if (!scripts) {
      check(`${name}, ${device}: shows its title`, (await page.locator('h1').first().innerText()).trim().length > 0);
      await context.close();
      continue;
    }
    const size = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
    check(`${name}, ${device}: no sideways scrolling`, size[0] <= size[1], `${size[0]} > ${size[1]}`);
    if (device === 'desk') {
      await page.evaluate(() => document.querySelectorAll('details').forEach(d => { d.open = true; }));
    }
    await page.evaluate(axe);
    const result = await page.evaluate(() => window.axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}));
    check(`${name}, ${device}: accessible`, result.violations.length === 0,
      result.violations.map(v => `${v.id} (${v.nodes.length}x, ${v.nodes[0].html.slice(0, 120)})`).join('; '));
    await context.close();
  }
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(url);
  const pdf = await page.pdf({preferCSSPageSize: true, format: 'A4'});
  check(`${name}: prints`, pdf.length > 10000, `${pdf.length} bytes`);
  if (await page.locator('.measure').count() > 0) {
    for (const format of ['A4', 'Letter']) {
      const sheet = (await page.pdf({format})).toString('latin1');
      const pages = [...sheet.matchAll(/\/Type\s*\/Page\b/g)].length;
      check(`${name}: the measuring sheet is one page on ${format}`, pages === 1, `${pages} pages`);
    }
  }
  await context.close();
}
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
