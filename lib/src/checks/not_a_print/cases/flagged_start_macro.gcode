; expect: not-a-print error
BENCH_START NOZZLE_HEAT=210 PLATE_HEAT=60
