(title: Scribble 2)
(job: scribble-002)
(layer 0 of 2: margin walk)
(brush: sable)
(ink: none)
(hash: 2e82b5035b34cdf603567d2e3761bf4bb808f65bb591729b5a9007db4c3c87fc)
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
G1 X-34.1847 Y-20.2870 F1900
X-34.8355 Y-19.3778
X-35.5788 Y-18.5425
X-36.4170 Y-17.7800
X-37.3266 Y-17.1148
X-38.2975 Y-16.5515
X-39.3356 Y-16.0871
X-40.4190 Y-15.7350
X-41.5265 Y-15.4990
X-42.6615 Y-15.3786
X-43.8093 Y-15.3767
X-43.9013
X-45.0054 Y-15.4870
X-46.0823 Y-15.6913
X-111.3785 Y-40.8946
X-126.4812 Y-72.1102
X-127.4896 Y-75.3050
X-127.5081 Y-75.3795
Y-75.8691
X-125.4781 Y-78.9040
X-122.1161 Y-80.1819
X-121.4449
X-33.6677 Y-67.7893
X-33.5320 Y-67.7701
X-33.3976 Y-67.7446
X-33.2645 Y-67.7127
X-33.1328 Y-67.6747
X-25.4731 Y-65.1829
X-25.2466 Y-65.1002
X-25.0230 Y-65.0029
X-24.8058 Y-64.8919
X-24.3815 Y-64.6659
Y-64.6057
X-32.8388 Y-23.3859
X-33.1746 Y-22.3145
X-33.6256 Y-21.2732
X-34.1847 Y-20.2870
X0.0000 Y0.0000
M2
