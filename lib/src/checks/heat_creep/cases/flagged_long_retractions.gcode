; 4.5 mm pulled back again and again, by a drive on the hot end; six are enough here
; expect: heat-creep note
; tells: 4.5 of 3 mm, count 6
; set: checks.heat-creep.long_pulls=6
; set: filament.material=pla
; set: machine.drive=direct
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 X50 E1.66301 F2400
G1 E-4.5 F1800
G1 X15 F6000
G1 E4.5 F1800
G1 X55 E1.66301 F2400
G1 E-4.5 F1800
G1 X16 F6000
G1 E4.5 F1800
G1 X56 E1.66301 F2400
G1 E-4.5 F1800
G1 X17 F6000
G1 E4.5 F1800
G1 X57 E1.66301 F2400
G1 E-4.5 F1800
G1 X18 F6000
G1 E4.5 F1800
G1 X58 E1.66301 F2400
G1 E-4.5 F1800
G1 X19 F6000
G1 E4.5 F1800
G1 X59 E1.66301 F2400
G1 E-4.5 F1800
G1 X20 F6000
G1 E4.5 F1800
G1 X60 E1.66301 F2400
M104 S0
M140 S0
