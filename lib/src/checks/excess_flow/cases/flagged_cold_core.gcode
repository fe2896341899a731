; the market vase, 0.8 mm nozzle: 0.4 mm² at 80 mm/s are 32 mm³/s, where 20 mm at 210 °C heat 22 through
; expect: excess-flow error
; set: filament.material=pla
; set: machine.melt_zone_mm=20
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 X110 E16.6301 F1200
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301 F4800
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
G1 X110 E16.6301
G1 X10 E16.6301
M104 S0
M140 S0
