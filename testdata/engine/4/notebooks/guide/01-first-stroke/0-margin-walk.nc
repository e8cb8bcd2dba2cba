(title: First stroke)
(job: guide/01-first-stroke)
(layer 0 of 1: margin walk)
(brush: school round)
(ink: none)
(hash: f288d31fea212926cb761e3cb704d8683936e9043b002c6c76c361453e632d2d)
(margin walk: flies round all that will be painted, 10.000 mm above the paper,)
(- about 9 s)
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
G1 X15.350 Y33.351 F3000
X54.398 Y22.471
X54.797
X80.370 Y28.800
X103.863 Y38.436
X124.426 Y53.729
X137.752 Y70.168
Y70.567
X130.250 Y78.250
X114.690 Y85.328
X114.291
X60.601 Y61.970
X41.715 Y53.609
X15.350 Y34.649
Y33.351
X0.000 Y0.000
M2
