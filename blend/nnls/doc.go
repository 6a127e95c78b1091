// Package nnls solves small least squares problems whose answer may not be
// negative, as amounts of powder may not, with bounds on their total and on
// what they cost:
//
//	minimise ½ xᵀH x + g·x     (H = AᵀA, g = −Aᵀb for ‖A x − b‖²/2)
//	subject to  Lo ≤ x ≤ Hi,  SumLo ≤ Σx ≤ SumHi,  Cost·x ≤ CostHi
//
// from the feasible point x = 0. It is the primal active-set method (Nocedal
// and Wright, Numerical Optimization, algorithm 16.3; for bounds alone that of
// Lawson and Hanson, Solving Least Squares Problems, 1974, chapter 23). Every
// step stays feasible and none makes it worse. A linear bound that is held is
// kept by eliminating a variable, so it holds to rounding; no heavy weight is
// used.
//
// Working on AᵀA halves the digits that survive: columns that agree to about
// six digits count as equal. When the columns are dependent there are many
// minimisers. One of them is returned; which one depends on the order of the
// columns, the residual does not.
//
// A Problem lives on the stack and solving it allocates nothing.
package nnls
