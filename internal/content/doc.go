// Package content reads content streams (ISO 32000-1, 7.8.2): bytes in,
// operations out, every one a span of the input.
//
// Start with NewScanner and step with Next. An Operation is an operator with
// its operands; its accessors (Float, Name, Bytes, Elements) read the operands
// when asked, so a stream whose operands nobody looks at is only stepped
// through. Op.Class tells what an operator does. NextSegment and SkipPath go
// through paths faster than Next.
//
// A Machine follows the operations and keeps the graphics state of clause 8.4,
// the text object of 9.4 and the path under construction of 8.5, as far as
// that needs no resources: what is shown, painted or called is the caller's.
//
// What is promised:
//
//   - The input is never written to, and no operation costs an allocation.
//   - Spans come in order and do not overlap. Between them lie only white
//     space, comments and bytes that are no token, such as a closing bracket
//     without an opening one; behind the last, operands without an operator.
//   - Any input is accepted. Nothing panics, time is linear in the length of
//     the input (plus a fixed allowance for measuring inline images), memory is
//     constant.
//   - Where the standard says nothing about malformed input, the comments name
//     the engines that do the same.
//   - Coordinates are computed alike on every processor: products are rounded
//     before they are added (no fused multiply-add).
//
// All types are for use by one goroutine at a time.
package content
