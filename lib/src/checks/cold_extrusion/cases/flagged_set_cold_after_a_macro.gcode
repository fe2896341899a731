; expect: cold-extrusion error
; tells: more than 60 s after the nozzle was set down to 100 °C at line 6
; the macro may have heated the nozzle; what is set after it holds
G28
BENCH_START
M104 S100
G1 Z0.2 F600
G1 X40 Y40 F7200
G1 X60 Y40 E0.6660 F60
G1 X60 Y60 E1.3320 F60
G1 X40 Y60 E1.9980 F60
G1 X40 Y40 E2.6640 F60
G1 Z0.4 F600
G1 X40 Y40 F7200
G1 X60 Y40 E3.3300 F60
G1 X60 Y60 E3.9960 F60
G1 X40 Y60 E4.6620 F60
G1 X40 Y40 E5.3280 F60
M104 S0
M140 S0
G91
G1 Z10 F600
G90
M84
