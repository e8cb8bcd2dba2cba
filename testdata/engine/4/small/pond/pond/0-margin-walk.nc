(title: Pond)
(job: pond)
(layer 0 of 2: margin walk)
(brush: sable)
(ink: none)
(hash: 24258165e1cdfdc0a3ff2484a84b7ecbe60a5842f0759a1ec86f86d0059f6040)
(margin walk: flies round all that will be painted, 10.000 mm above the paper,)
(- about 12 s)
(mm, X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(mount and touch off the first brush, then run this and see that no clamp and)
(- no tape is in the way of brush and holder)
(caution: spindle isolated and unplugged, hand at the stop, never unattended,)
(- fingers clear while it moves. The machine's manual and local rules come)
(- first. Fly it in the air before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z10.000
M0
G0 Z10.000
G1 X59.929 Y39.993 F3000
X109.879 Y29.999
X110.099
X180.800 Y39.201
Y40.799
X130.032 Y121.532
X100.121 Y130.001
X99.901
X69.974 Y110.040
X59.929 Y40.213
Y39.993
X0.000 Y0.000
M2
