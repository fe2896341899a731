; expect: heat-creep warning
; tells: 55 of 45 °C, count 1
; 5 °C below the glass transition
; set: machine.chamber_c=55
; set: filament.material=pla
G21
G90
M82
M140 S60
M104 S210
G28
M190 S60
M109 S210
G92 E0
G1 Z0.2 F600
G1 X40 Y40 F7200
G1 X60 Y40 E0.6660 F1200
G1 X60 Y60 E1.3320 F1200
G1 X40 Y60 E1.9980 F1200
G1 X40 Y40 E2.6640 F1200
M104 S0
M140 S0
G91
G1 Z10 F600
G90
M84
