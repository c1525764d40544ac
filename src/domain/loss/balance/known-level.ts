import type { CoolantFact } from '../facts/types.js';
import type { UsagePoint } from '../facts/usage-span.js';

/** A level known to the mark, read on a cold engine or made by filling up to it. */
export interface KnownLevel {
  factId: string;
  factKind: CoolantFact['kind'];
  at: string;
  point: UsagePoint;
  belowMarkL: number;
  /** Given as "at MAX", not in litres. */
  isByMarks: boolean;
  /** Lost since the previous known level, in L, additions counted; null where none was known. */
  lostL: number | null;
  /** The instant of that previous level. */
  previousMs: number | null;
}
