%
o1503 (Typed by Hand - notes stay as they are)
n1 (T01 turn)
g54g18g97g21g80g40g99
t0101
g50 s2500
g97s1100m3
g0x75.z12.
g0  x52. z1.   
m8
g1x-1.f.2
g0 x75. z12.
g0g53x0.z0.
m9
m5
m30
%
