; expect: cold-extrusion error
G28
G1 X20 Y20 Z0.4 F1200
M101
G1 X60 Y20
G1 X60 Y40
M103
