import { FieldNode } from 'apache-arrow/fb/field-node';
import { Message } from 'apache-arrow/ipc/metadata/message';
import { ByteBuffer } from 'flatbuffers';

// The reader of Arrow believes every length that a file tells it, and for a damaged one would go through a thousand million values. Nothing can have more
// members than there are bytes to tell of them, nor a column more values than the file has bits. One that sends it back to where it was would keep it for ever:
// a part has at least eight bytes, so there are not many.
const listLength = Object.getOwnPropertyDescriptor(ByteBuffer.prototype, '__vector_len')!.value as (this: ByteBuffer, offset: number) => number;
const columnLength = Object.getOwnPropertyDescriptor(FieldNode.prototype, 'length')!.value as (this: FieldNode) => bigint;
const partOf = Message.decode.bind(Message);
let mostValues = Infinity, partsLeft = Infinity;

ByteBuffer.prototype.__vector_len = function (this: ByteBuffer, offset: number): number {
  return within(listLength.call(this, offset), this.capacity());
};
FieldNode.prototype.length = function (this: FieldNode): bigint {
  const length = columnLength.call(this);
  within(Number(length), mostValues);
  return length;
};

Message.decode = (bytes) => {
  if (--partsLeft < 0) throw new RangeError('the same part comes again and again');
  return partOf(bytes);
};

/** Reads an Arrow file of so many bytes; lengths that it can't have throw a RangeError. */
export function withPlausibleLengths(bytes: number, read: () => void): void {
  mostValues = 8 * bytes;
  partsLeft = bytes / 8;
  try {
    read();
  } finally {
    mostValues = Infinity;
    partsLeft = Infinity;
  }
}

/** Throws a RangeError where a length is more than it can be. */
export function within(length: number, most: number): number {
  if (length > most) throw new RangeError(`a length of ${length}, where ${most} is the most`);
  return length;
}
