// Opens logbook pages in a headless browser and holds them against what a
// page must be: nothing fetched from elsewhere, nothing run, no sideways
// scrolling on a phone, readable by everyone, printable.
// Usage: node check.mjs FILE.html...
// With PRINT=1 they are only printed.
import {chromium} from 'playwright-core';
import fs from 'node:fs';
import os from 'node:os';
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

// printedCard finds what does not fit on the sides of a job card, or is in smaller
// type than 8 points. It runs in the page, as it is printed.
const printedCard = () => {
  const point = 96 / 72, wrong = [];
  const within = (a, b) => a.left >= b.left - 1 && a.right <= b.right + 1 && a.top >= b.top - 1 && a.bottom <= b.bottom + 1;
  for (const side of document.querySelectorAll('.side')) {
    const box = side.getBoundingClientRect();
    if (side.scrollHeight > side.clientHeight + 1 || side.scrollWidth > side.clientWidth + 1) wrong.push(`${side.className}: ${side.scrollWidth} x ${side.scrollHeight} px of ${side.clientWidth} x ${side.clientHeight}`);
    const walk = document.createTreeWalker(side, NodeFilter.SHOW_TEXT);
    for (let node; (node = walk.nextNode());) {
      const holder = node.parentElement;
      if (!node.data.trim() || holder.closest('title')) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      let size = parseFloat(getComputedStyle(holder).fontSize);
      const picture = holder.closest('svg');
      if (picture) size *= picture.getBoundingClientRect().width / picture.viewBox.baseVal.width;
      if (size < 8 * point - 0.01) wrong.push(`${(size / point).toFixed(2)} pt: ${node.data.trim().slice(0, 30)}`);
      for (const rect of range.getClientRects()) if (!within(rect, box)) wrong.push(`over the edge: ${node.data.trim().slice(0, 30)}`);
      const clip = holder.closest('figcaption,.notes p,svg');
      const r = range.getBoundingClientRect(), aside = picture ? r.height / 4 : 0; // a number is lower than its line
      if (clip && !within({left: r.left, right: r.right, top: r.top + aside, bottom: r.bottom - aside}, clip.getBoundingClientRect()) && !holder.closest('.bed')) wrong.push(`cut off: ${node.data.trim().slice(0, 30)}`);
    }
    for (const e of side.querySelectorAll('*')) { // what hides its overflow and is too small for it
      if (e.closest('svg') || e.classList.contains('lines')) continue;
      if (getComputedStyle(e).overflowY !== 'visible' && e.scrollHeight > e.clientHeight + 2) wrong.push(`cut off below: ${e.textContent.trim().slice(0, 30)}`);
    }
    for (const bed of side.querySelectorAll('svg.bed')) {
      const texts = [...bed.querySelectorAll('text')].filter(t => t.getClientRects().length > 0);
      texts.forEach((a, i) => texts.slice(i + 1).forEach(b => {
        const p = a.getBoundingClientRect(), q = b.getBoundingClientRect();
        const wide = Math.min(p.right, q.right) - Math.max(p.left, q.left), high = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
        if (wide > 1 && high > 0.25 * Math.min(p.height, q.height)) wrong.push(`${a.textContent} is printed over ${b.textContent}`);
      }));
      const around = bed.getBoundingClientRect();
      for (const t of texts) if (!within(t.getBoundingClientRect(), around)) wrong.push(`outside the picture of the bed: ${t.textContent}`);
    }
    const bare = (box.bottom - side.lastElementChild.getBoundingClientRect().bottom) * 25.4 / 96;
    if (side.classList.contains('tight') && bare > 25) wrong.push(`${bare.toFixed(0)} mm of a tight front are bare`);
    const parts = [...side.children].map(e => e.getBoundingClientRect());
    for (let i = 1; i < parts.length; i++) if (parts[i].top < parts[i - 1].bottom - 1) wrong.push(`part ${i + 1} of ${side.className} lies on the one before`);
  }
  return wrong;
};

// checkCard prints a job card: as many sheets as its layers need, each with two
// sides.
const checkCard = async (page, name) => {
  const layers = await page.locator('.drawn').count(), sheets = Math.ceil(layers / 6);
  check(`${name}: has a map`, layers > 0);
  for (const format of ['A4', 'Letter']) {
    const sheet = (await page.pdf({format})).toString('latin1');
    const pages = [...sheet.matchAll(/\/Type\s*\/Page\b/g)].length;
    check(`${name}: ${layers} layers are ${sheets} sheets, two sides each, on ${format}`, pages === 2 * sheets, `${pages} pages`);
  }
  await page.emulateMedia({media: 'print'});
  await page.setViewportSize({width: 719, height: 1000}); // 190 mm
  const wrong = await page.evaluate(printedCard);
  check(`${name}: all of it is on its side, in 8 points or more`, wrong.length === 0, wrong.slice(0, 5).join('; '));
};

const devices = process.env.PRINT ? [] : [['desk', 1200, 900, true], ['phone', 390, 844, true], ['small phone', 320, 640, true], ['phone, scripts off', 390, 844, false]];

// checkFile opens one page on each device, and prints it.
const checkFile = async file => {
  const url = 'file://' + path.resolve(file);
  const name = path.basename(path.dirname(path.resolve(file))) + '/' + path.basename(file);
  for (const [device, width, height, scripts] of devices) {
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
    if (device === 'phone') { // between the other two
      await context.close();
      continue;
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
  if (path.basename(file) === 'card.html') await checkCard(page, name);
  await context.close();
};

// As many pages at a time as there are processors, the largest first, as they take longest.
const files = process.argv.slice(2).sort((a, b) => fs.statSync(b).size - fs.statSync(a).size);
await Promise.all(Array.from({length: os.availableParallelism()}, async () => {
  for (let file; (file = files.shift());) await checkFile(file);
}));
await browser.close();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed ? 1 : 0);
