(title: Scribble 2)
(job: scribble-002)
(layer 0 of 2: margin walk)
(brush: sable)
(ink: none)
(hash: 3564367c4c818ed9f976269f0ea23b16eeec758b8d60e22082da456ef8bf3e29)
(margin walk: flies round all that will be painted, 10.0000 mm above the paper,)
(- about 11 s)
(mm, X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(mount and touch off the first brush, then run this and see that no clamp and)
(- no tape is in the way of brush and holder)
(caution: spindle isolated and unplugged, hand at the stop, never unattended,)
(- fingers clear while it moves. The machine's manual and local rules come)
(- first. Fly it in the air before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z10.0000
M0
G0 Z10.0000
G1 X-3.9137 Y-0.6137 F1900
X-35.4814 Y-0.1814
X-48.7386
X-123.4390 Y-27.8936
X-123.5220 Y-27.9805
X-123.5402 Y-28.0007
X-123.7499 Y-29.2950
X-123.7703 Y-29.5126
X-123.8569 Y-30.4738
Y-30.5340
X-117.5269 Y-72.1809
X-117.5046 Y-72.2500
X-117.4792 Y-72.2997
X-117.4495 Y-72.3399
X-117.4095 Y-72.3789
X-117.3500 Y-72.4206
X-117.2479 Y-72.4684
X-117.0665 Y-72.5043
X-45.3459 Y-80.7344
X-45.2857
X-38.5267 Y-80.4384
X-35.7580 Y-79.6608
X-3.9137 Y-1.0063
Y-0.6137
X0.0000 Y0.0000
M2
