(title: Pond)
(job: pond)
(layer 0 of 2: margin walk)
(brush: sable)
(ink: none)
(hash: 372bb5c6180ee0a08c6e89b2b8a84b5be557111c60273abd838ba84359860e27)
(margin walk: travels round everything that will be painted, at Z6.000, about)
(- 11.1 s)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(waits at X0.000 Y168.000 Z6.000 at the end)
(mount the first brush, dry, and touch it off. Then run this and watch that)
(- brush and holder clear clamps and tape.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z6.000
M0
G0 Z6.000
G1 X0.000 Y168.000 F3000
X59.929 Y39.993
X109.879 Y29.999
X110.099
X180.800 Y39.201
Y40.799
X130.032 Y121.532
X0.000 Y168.000
M2
