(title: Scribble 2)
(job: scribble-002)
(layer 0 of 2: margin walk)
(brush: sable)
(ink: none)
(hash: 934b33525c4e9e8ec4dbc4db34460b63a669ed7e17b08a41d9370de379b53809)
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
X-123.9687 Y-21.3071
X-124.4880 Y-21.5822
X-124.5597 Y-21.6221
X-125.6245 Y-22.4391
X-126.2058 Y-22.8950
X-126.5407 Y-23.3990
X-126.5438 Y-23.4555
X-126.6624 Y-25.7473
Y-25.8075
X-126.6051 Y-26.0486
X-126.5952 Y-26.0809
X-125.3949 Y-29.0143
X-112.2730 Y-52.0071
X-111.5965 Y-53.1028
X-110.7791 Y-54.1067
X-109.8222 Y-55.0047
X-108.8052 Y-55.7383
X-78.1773 Y-72.7406
X-77.4669 Y-73.0959
X-77.1004 Y-73.2622
X-76.7289 Y-73.4062
X-76.3461 Y-73.5304
X-75.9599 Y-73.6323
X-45.3459 Y-80.7344
X-45.2857
X-38.5267 Y-80.4384
X-35.7580 Y-79.6608
X-3.9137 Y-1.0063
Y-0.6137
X0.0000 Y0.0000
M2
