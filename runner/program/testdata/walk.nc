(title: Heron at first light)
(job: heron)
(hash: ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad)
(margin walk: flies round all that will be painted, 5.000 mm above the paper,)
(- about 15 s)
(mm, X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(waits at X0.000 Y317.000 Z5.000 at the end)
(mount and touch off the first brush, then run this and see that no clamp and)
(- no tape is in the way of brush and holder)
(caution: spindle isolated and unplugged, hand at the stop, never unattended,)
(- fingers clear while it moves. The machine's manual and local rules come)
(- first. Fly it in the air before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z5.000
M0
G0 Z5.000
G1 X0.000 Y317.000 F3000
X39.600 Y50.020
X79.800
X92.879 Y58.941
X120.000 Y79.820
X120.200 Y80.420
Y80.620
X100.055 Y200.475
X0.000 Y317.000
M2
