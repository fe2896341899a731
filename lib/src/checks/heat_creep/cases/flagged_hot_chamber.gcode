; PLA in a chamber of 58 °C
; expect: heat-creep warning
; tells: 58 of 45 °C, count 1
; set: filament.material=pla
; set: machine.chamber_c=58
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 X110 E4.15752 F2400
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
M104 S0
M140 S0
