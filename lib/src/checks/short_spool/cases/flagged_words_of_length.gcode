; expect: short-spool error
; set: filament.spool_length_mm=2600
; tells: feeds 2.66 m of filament; of the 2.6 m on the spool 2.5 m get through
; tells: 2664 of 2500 mm
; 4 × 666 mm are fed
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
G1 X60 Y40 E666 F1200
G1 X60 Y60 E1332 F1200
G1 X40 Y60 E1998 F1200
G1 X40 Y40 E2664 F1200
M104 S0
M140 S0
G91
G1 Z10 F600
G90
M84
