(title: Pond)
(job: pond)
(layer 2 of 2: bird)
(brush: sable)
(ink: indigo)
(hash: 1bdd0b2de428bcd6762f32770a30e0467e4bf1722b9e7fdc41c142de2bcdd6c5)
(about 30.7 s, 7 strokes, 90.4 mm of marks)
(timed with travel 3000, z 900, acceleration 150, corner 0.05)
(in mm: X0 Y0 is the lay corner of the sheet, Z0 the first touch of the paper)
(travels at Z6.000, deepest Z-4.410)
(waits at X0.000 Y168.000 Z6.000 at each pause and at the end)
(touch off Z only: lower the wet brush in smaller and smaller steps until the)
(- faintest speck of ink shows, and set Z zero there. Leave X and Y alone while)
(- this sheet is on the bed.)
(caution: unplug the spindle, keep a hand at the stop and fingers clear, and)
(- never leave the machine alone while it moves. Its manual and local rules)
(- come first. Make an air run before it paints.)
G21 G17 G90 G94 G40 G49
G0 Z6.000
(stroke 1)
G0 X100.750 Y120.750
G1 Z-2.663 F450
X129.250 F600
Z6.000 F450
(stroke 2)
G0 X129.250 Y120.750
G1 Z-2.663 F450
X129.570 Y120.430 Z-1.296 F600
X129.730 Y120.270 Z-0.622
X129.810 Y120.190 Z-0.303
X129.890 Y120.110 Z0.000
X129.922 Y120.078
Z6.000 F450
(stroke 3)
G0 X129.250 Y120.750
G1 Z-2.663 F450
X129.570 Y121.070 Z-1.296 F600
X129.730 Y121.230 Z-0.622
X129.810 Y121.310 Z-0.303
X129.890 Y121.390 Z0.000
X129.922 Y121.422
Z6.000 F450
(stroke 4)
G0 X100.750 Y120.750
G1 Z-2.663 F450
X100.430 Y120.430 Z-1.296 F600
X100.270 Y120.270 Z-0.622
X100.190 Y120.190 Z-0.303
X100.110 Y120.110 Z0.000
X100.078 Y120.078
Z6.000 F450
(stroke 5)
G0 X100.750 Y120.750
G1 Z-2.663 F450
X100.430 Y121.070 Z-1.296 F600
X100.270 Y121.230 Z-0.622
X100.190 Y121.310 Z-0.303
X100.110 Y121.390 Z0.000
X100.078 Y121.422
Z6.000 F450
(stroke 6)
G0 X140.000 Y95.000
G1 Z-4.410 F450
Z6.000
(stroke 7)
G0 X129.906 Y89.943
G1 Z0.000 F450
X127.516 Y88.510 F600
X123.996 Y86.398 Z-0.528
X121.995 Y85.197 Z-0.807
X119.995 Y83.997 Z-1.059
X117.995 Y82.797 Z-1.279
X115.995 Y81.597 Z-1.469
X113.996 Y80.398 Z-1.628
X111.997 Y79.198 Z-1.755
X109.998 Y77.999 Z-1.851
X107.998 Y76.799 Z-1.915
X106.000 Y75.600 Z-1.948
X104.001 Y74.400
X102.002 Y73.201 Z-1.915
X100.003 Y72.002 Z-1.851
X98.004 Y70.802 Z-1.755
X96.004 Y69.603 Z-1.628
X94.005 Y68.403 Z-1.469
X92.005 Y67.203 Z-1.279
X90.005 Y66.003 Z-1.059
X88.005 Y64.803 Z-0.807
X86.004 Y63.603 Z-0.528
X82.484 Y61.490 Z0.000
X80.094 Y60.057
Z6.000 F450
(end)
G0 X0.000 Y168.000
M0
M2
