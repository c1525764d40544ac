/**
 * How far a reader has come: everything up to the nth subject of an event has been told, and
 * everything of earlier transactions. A position need not be that of an event: (xid, 0, 0) stands
 * before all that the transaction did.
 */
export interface EventPosition {
  xid: number;
  seq: number;
  n: number;
}

/** A position, and when it was given out. */
export interface EventId extends EventPosition {
  /**
   * Epoch seconds, by the service's clock: tells whether what came after may have been removed, and
   * whether a midnight lies between.
   */
  at: number;
}

const ID = /^(\d{1,15})\.(\d{1,9})\.(\d{1,9})\.(\d{1,12})$/;

/**
 * An id as a client keeps it. @example writeId({ xid: 791, seq: 1, n: 3, at: 1775142000 }) //
 * '791.1.3.1775142000'
 */
export const writeId = ({ xid, seq, n, at }: EventId): string => `${xid}.${seq}.${n}.${at}`;

/** Reads back what a client kept; null where it is no id of ours. */
export function readId(text: string): EventId | null {
  const parts = ID.exec(text)?.slice(1).map(Number);
  if (parts === undefined) return null;
  const [xid = 0, seq = 0, n = 0, at = 0] = parts;
  return { xid, seq, n, at };
}
