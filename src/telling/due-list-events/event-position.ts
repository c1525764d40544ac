/**
 * How far a reader has come: everything up to the nth subject of this event, and everything of
 * earlier transactions, has been sent. A position need not belong to an event: (xid, 0, 0) is
 * before everything the transaction did.
 */
export interface EventPosition {
  xid: number;
  seq: number;
  n: number;
}

/** A position and when it was given to the client. */
export interface EventId extends EventPosition {
  /**
   * Epoch seconds by the service's clock. Tells whether later events may have been removed, and
   * whether midnight has passed.
   */
  at: number;
}

const ID = /^(\d{1,15})\.(\d{1,9})\.(\d{1,9})\.(\d{1,12})$/;

/**
 * Formats an id for the client to keep. @example writeId({ xid: 791, seq: 1, n: 3, at: 1775142000
 * }) // '791.1.3.1775142000'
 */
export const writeId = ({ xid, seq, n, at }: EventId): string => `${xid}.${seq}.${n}.${at}`;

/** Parses an id that a client kept; null when it is not one of ours. */
export function readId(text: string): EventId | null {
  const parts = ID.exec(text)?.slice(1).map(Number);
  if (parts === undefined) return null;
  const [xid = 0, seq = 0, n = 0, at = 0] = parts;
  return { xid, seq, n, at };
}
