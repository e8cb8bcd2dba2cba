(title: Pond)
(job: pond)
(brush: sable)
(hash: 80d0d2d7aac311e9c4f7a06dccac653a3938714d80937d5ba0a9baa07bbe8354)
(margin walk: travels round everything that will be painted, at Z6.000, about)
(- 11.2 s)
(timed with travel 3000, z 900, acceleration 150, corner 0.05)
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
