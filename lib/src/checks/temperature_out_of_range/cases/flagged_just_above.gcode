; expect: temperature-out-of-range warning
; expect: temperature-out-of-range warning
; tells: 226 of 220 °C, count 1, lines 27 to 27
; tells: 66 of 60 °C, count 1, lines 27 to 27
; tells: On a bed this hot
; tells: The hotter the melt
; a degree beyond the margin, on one layer
; set: filament.nozzle_c=[190, 220]
; set: filament.bed_c=[50, 60]
G21
G90
M82
G28
M190 S75
M109 S235
G92 E0
G1 Z0.2 F600
G1 X40 Y40 F7200
G1 X60 Y40 E0.6660 F1200
G1 X60 Y60 E1.3320 F1200
G1 X40 Y60 E1.9980 F1200
G1 X40 Y40 E2.6640 F1200
M104 S226
M140 S66
G1 Z0.4 F600
G1 X40 Y40 F7200
G1 X60 Y40 E3.3300 F1200
G1 X60 Y60 E3.9960 F1200
G1 X40 Y60 E4.6620 F1200
G1 X40 Y40 E5.3280 F1200
M104 S200
M140 S60
G1 Z0.6 F600
G1 X40 Y40 F7200
G1 X60 Y40 E5.9940 F1200
G1 X60 Y60 E6.6600 F1200
G1 X40 Y60 E7.3260 F1200
G1 X40 Y40 E7.9920 F1200
M104 S0
M140 S0
G91
G1 Z10 F600
G90
M84
