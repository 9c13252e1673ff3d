o0701 (knob)
t0303
g50 s3000
g96 s180 m3
g0 x42. z1.
g1 x0 z0 f.15
g3 x20. z-10. r10. f.1
g1 z-16.
g2 x30. z-21. r5.
g1 x40.
g0 x100. z80.
m30
