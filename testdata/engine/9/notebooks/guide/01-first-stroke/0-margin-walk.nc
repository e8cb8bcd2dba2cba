(title: First stroke)
(job: guide/01-first-stroke)
(brush: school round)
(hash: 481dff446dd82d695204ad399fef6510a7c6a283912464d561f3904b5b7a98f7)
(margin walk: travels round everything that will be painted, at Z6.000, about)
(- 8.9 s)
(timed with travel 3000, z 600, acceleration 150, corner 0.05)
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
X15.350 Y33.351
X54.398 Y22.471
X54.797
X80.370 Y28.800
X103.863 Y38.436
X124.426 Y53.729
X137.752 Y70.168
Y70.567
X130.250 Y78.250
X114.690 Y85.328
X0.000 Y125.000
M2
