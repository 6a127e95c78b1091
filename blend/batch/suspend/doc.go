// Package suspend works out how particles settle in a liquid and what holds
// them up: Stokes drag on spheres and thin discs, and the yield stress below
// which neither moves. SI units throughout unless a name says otherwise.
//
// The drag is that of one particle alone in much liquid. A shimmer oil is
// more crowded than that (flakes turning freely sweep out many times their
// own volume), so it settles more slowly than these figures; treat them as
// the soonest.
package suspend
