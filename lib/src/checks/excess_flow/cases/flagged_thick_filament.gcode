; filament of 2.85 mm: the flow is what counts, not its thickness
; expect: excess-flow error
; set: filament.material=pla
; set: machine.melt_zone_mm=20
; set: machine.filament_diameter_mm=2.85
M83
G28
M140 S60
M109 S210
G1 Z0.3 F600
G1 X110 E6.27019 F1200
G1 X10 E6.27019
G1 X110 E6.27019
G1 X10 E6.27019
G1 X110 E6.27019 F4800
G1 X10 E6.27019
G1 X110 E6.27019
G1 X10 E6.27019
G1 X110 E6.27019
G1 X10 E6.27019
M104 S0
M140 S0
