(title: Character)
(job: character)
(brush: mop)
(hash: bfbb25be3763446a2796e24082194232709a3d4a459c850837c8a4069a3edc5a)
(margin walk: travels round everything that will be painted, at Z6.000, about)
(- 7.4 s)
(timed with travel 3000, z 900, acceleration 150, corner 0.05)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(waits at X0.000 Y125.000 Z6.000 at the end)
(mount the first brush, dry, and touch it off. Then run this and watch that)
(- brush and holder clear clamps and tape.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z6.000
M0
G0 Z6.000
G1 X0.000 Y125.000 F3000
X51.888 Y34.174
X51.917 Y34.157
X71.622 Y27.906
X71.816 Y27.846
X72.041 Y27.792
X72.266 Y27.750
X72.483 Y27.721
X74.391
X74.528 Y27.750
X74.660 Y27.792
X74.803 Y27.846
X100.949 Y38.028
X101.051 Y38.069
X101.140 Y38.117
X101.201 Y38.166
X101.236 Y38.213
Y38.831
X92.374 Y64.693
X92.297 Y64.892
X92.231 Y65.037
X92.009 Y65.454
X91.842 Y65.719
X91.624 Y66.023
X91.379 Y66.327
X77.424 Y77.466
X77.243 Y77.609
X77.032 Y77.748
X0.000 Y125.000
M2
