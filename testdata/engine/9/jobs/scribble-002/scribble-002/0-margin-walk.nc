(title: Scribble 2)
(job: scribble-002)
(brush: sable)
(hash: fe1d801ea2260f8142d14b40410822ea7d9a33ba25245b52c54f01a35c8bea99)
(margin walk: travels round everything that will be painted, at Z5.4000, about)
(- 13.6 s)
(timed with travel 1900, z 1200, acceleration 360, corner 0.05)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(waits at X-168.0000 Y0.0000 Z5.4000 at the end)
(mount the first brush, dry, and touch it off. Then run this and watch that)
(- brush and holder clear clamps and tape.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z5.4000
M0
G0 Z5.4000
G1 X-168.0000 Y0.0000 F1900
X-118.3692 Y-73.9897
X-118.3395 Y-74.0299
X-118.2995 Y-74.0689
X-118.2400 Y-74.1106
X-118.1379 Y-74.1584
X-117.9565 Y-74.1943
X-45.3459 Y-80.7344
X-45.2857
X-38.5267 Y-80.4384
X-35.7580 Y-79.6608
X-3.9259 Y-0.9941
Y-0.6259
X-35.5255 Y-0.2255
X-168.0000 Y0.0000
M2
