; the file heats the chamber to 48 °C
; expect: heat-creep note
; tells: 48 of 45 °C, count 1
; set: filament.material=pla
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
M141 S48
G1 X110 E4.15752 F2400
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
M104 S0
M140 S0
