%
o0330 (rolle d50)
g53 x0 z0
t0101
g96 s180 m4
g0 x54. z0
g1 x-1. f.2
g0 x52. z2.
g1 x50.4 f.5
z-62. f.25
x54.
g0 z1.
x46.
g1 z0 f.2
x50. z-2. f.12
z-60.
x46. z-62.
g0 x56.
g53 x0 z0 m9
t0202
g97 s700 m4
g0 x56. z-65.
g1 x20. f.1
g0 x56.
z-63.5
g1 x46. f.1
x44. z-65.
x-1.
g53 x0
g53 z0
m30
