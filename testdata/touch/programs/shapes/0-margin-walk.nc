(title: Shapes)
(job: shapes)
(brush: mop)
(hash: 132da289fa9ea7f08e04cde0b3c13b006f3c94d08bfa6be5781cb1323ef1aa48)
(margin walk: travels round everything that will be painted, at Z6.000, about)
(- 8.8 s)
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
X29.968 Y52.808
X39.968 Y32.808
X84.757 Y32.000
X88.812 Y31.968
X89.032
X125.414 Y34.944
X136.000 Y81.890
Y82.110
X0.000 Y125.000
M2
