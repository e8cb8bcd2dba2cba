(title: Scribble 2)
(job: scribble-002)
(layer 1 of 2: layer 1)
(brush: sable)
(ink: ochre)
(hash: 8fd08d92b4806feb391a6e3bfdb05e88af59790983539e79cb8874e0757afc9c)
(about 16 s, 2 strokes, 0.1 m of path on the paper)
(mm, X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(travels at Z5.4000, goes down to Z-1.6407)
(touch off Z only: lower the wet brush in ever smaller steps until the faintest)
(- speck shows, and call that height Z0. X and Y are never zeroed again while)
(- this sheet is on the bed.)
(caution: spindle isolated and unplugged, hand at the stop, never unattended,)
(- fingers clear while it moves. The machine's manual and local rules come)
(- first. Fly it in the air before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z5.4000
(stroke 1)
G0 X-34.2996 Y-32.1439
G1 Z0.0000 F480
X-33.7587 Y-31.1904 F900
X-33.6347 Y-30.9070
X-33.3081 Y-30.1608 Z-0.0390
X-32.9646 Y-29.0860 Z-0.0886
X-32.7341 Y-27.9797 Z-0.1330
X-32.6195 Y-26.8639 Z-0.1726
X-32.6205 Y-25.7438 Z-0.2062
X-32.7391 Y-24.6125 Z-0.2351
X-32.9701 Y-23.5172 Z-0.2585
X-33.3124 Y-22.4523 Z-0.2758
X-33.7678 Y-21.4154 Z-0.2876
X-34.3291 Y-20.4314 Z-0.2936
X-34.9799 Y-19.5222
X-35.7210 Y-18.6847 Z-0.2876
X-36.5549 Y-17.9179 Z-0.2761
X-37.4579 Y-17.2461 Z-0.2585
X-38.4201 Y-16.6741 Z-0.2354
X-39.4473 Y-16.1988 Z-0.2067
X-40.5174 Y-15.8334 Z-0.1721
X-41.6097 Y-15.5822 Z-0.1330
X-42.7272 Y-15.4443 Z-0.0886
X-43.8553 Y-15.4227 Z-0.0393
X-44.6722 Y-15.4916 Z0.0000
X-44.9753 Y-15.5171
X-46.0522 Y-15.7214
Z5.4000 F480
(stroke 2)
G0 X-126.4511 Y-72.1403
G1 Z0.0000 F480
X-126.6781 Y-73.1142 Z-0.1304 F900
X-126.8484 Y-73.8446 Z-0.2444
X-127.0754 Y-74.8185 Z-0.4213
X-127.2457 Y-75.5489 Z-0.5750
X-127.2633 Y-75.6243 Z-0.5776
X-125.1878 Y-78.6137 Z-0.7162
X-121.7805 Y-79.8463 Z-0.8614
X-118.4815 Y-78.8669 Z-1.0056
X-115.6233 Y-77.6243 Z-1.1415
X-112.0554 Y-75.9200 Z-1.3197
X-112.3928 Y-72.0759 Z-1.5017
X-112.5888 Y-69.4486 Z-1.6329
X-112.6601 Y-68.4932 Z-1.6407
X-112.7203 Y-68.3795
X-112.9426 Y-67.9597 Z-1.3870
X-113.2759 Y-67.3300 Z-1.0366
X-113.7204 Y-66.4904 Z-0.6159
X-114.1649 Y-65.6508 Z-0.2486
X-114.4983 Y-65.0211 Z0.0000
Z5.4000 F480
(end)
G0 X0.0000 Y0.0000
M0
M2
