; market vase: the machine waits for the heat when M101 switches the extruder on
G28
M104 S230
G1 X20 Y20 Z0.4 F1200
M101
G1 X60 Y20
G1 X60 Y40
M103
M104 S0
