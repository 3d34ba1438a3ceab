// Package paint tells how marks are painted: the colour of a stroke in sRGB,
// whatever space it was set in, its dash and width on the page. It knows
// resources; the graphics state itself is followed by content.Machine.
//
// Start with [New] and call [Painter.Follow] after each Apply of the machine.
// [Painter.PathStyles] and [Painter.TextStyles] then give the [Style] of a mark
// in the state at hand; styles are equal if and only if they compare equal with
// ==.
//
// What is promised:
//
//   - Colour spaces of ISO 32000-1, 8.6, other than Pattern are converted with
//     the formulas of 8.6.5 and 10.3; ICC profiles are not read, their number of
//     components or alternate space stands for them. A colour that cannot be
//     told is unknown, never a guess.
//   - In a space that is scaled unequally, a width or dash is the one between
//     the two directions: lengths are multiplied by the root of the factor by
//     which areas grow.
//   - Any input is accepted: nothing panics, and functions, spaces within each
//     other and calculator programs are bounded.
package paint
