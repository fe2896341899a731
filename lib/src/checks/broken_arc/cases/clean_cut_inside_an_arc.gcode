; the copy broke off inside the arc: truncated-file says so
G21
G90
M83
M104 S210
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 X80 E2 F1200
G1 Y60 E1.3
G1 X20 E2
G2 X20 Y40 I0 J