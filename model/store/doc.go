// Package store keeps one machine in one SQLite file, NAME.bellout, together
// with every edit that was ever made to it.
//
// What it promises:
//
//   - One door. Do, Log, Strike, Undo and Redo are each one transaction. When
//     one returns nil, the change is synced to disk, in the one file, which its
//     path names; when it returns an error, the file and the machine in memory
//     are as they were.
//   - A file that is renamed, deleted or replaced while it is open takes no more
//     changes: ErrMoved. Backup still saves it elsewhere. Where it is moved in
//     the very moment of a commit, ErrMoved comes with the change made, in the
//     moved file and in memory.
//   - Another program may write to the same file. Before each write the store
//     looks whether one did; then it loads the machine anew and returns
//     ErrChanged, and the caller asks for Machine again and repeats.
//   - A file that is not ours, newer than us, damaged, locked or not writable
//     gives an *Error of one line, and is not written.
//   - A reading, once acknowledged, never leaves the file and never changes. It
//     is struck out with a reason, no more.
//
// What is no edit, and goes through no undo: NoteCaution, KeepBench, and the
// names of states. The pictures of photos stay in the file as long as the file, since
// undo may bring any back; of the machine in memory they are no part, see
// PictureBytes.
//
// # Undo and redo
//
// The history is a line. Undo takes back the last edit that is done, Redo makes
// the first undone one again, over restarts. A new edit drops what could still
// be redone: those journal rows stay as dropped.
//
// Undo brings back the machine as it was before the edit, but for readings: a
// reading that the edit stored, through Log or through an import, stays and is
// struck out with the reason "undone"; Redo takes that reason away again. Where
// the terminals of a reading leave the map, because undo takes back the edit
// that made them or because an edit deletes a device together with its
// readings, the reading is away: it stays in the file, whole, and returns to
// the machine when that edit is gone through the other way. Numbers are never
// given twice, those of readings that are away included.
//
// # Touches
//
// An edit that makes, changes or takes away a wire or a link after readings
// were stored leaves a model.Touch for its ends before and after; the wire that
// a discovery adds through Log leaves none. Undo takes touches back.
//
// # Moves and states
//
// Beside the journal the file keeps every move of the machine: which row was
// done, undone or done again, one after another. A named state is the machine
// after a move; MachineAt takes the machine of now back to it, move by move, so
// that a state stays what it was when its edits are undone or dropped. Each
// move has an id of its own over all copies of a project: where the moves of
// two copies part, there the copies did: Base finds the machine of then, package
// merge what became of it, Merge brings it in as one edit.
package store
