// What an engine throws: its message is a sentence for the reader. `changed` is the
// file as it is, where it is not as it was last read.
export class Failure extends Error {
  constructor(message, changed = null) {
    super(message);
    this.changed = changed;
  }
}
