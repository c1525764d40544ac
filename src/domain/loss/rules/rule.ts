import type { Message } from '../../message.js';
import type { ComputedValue } from '../../evaluation/evaluation.js';
import type { Moment } from '../balance/moments.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { LossEvidence } from '../facts/types.js';

/** What a rule found at a fact: enough to raise an alert or to join an open one. */
export interface Finding {
  evidence: LossEvidence[];
  computed: Record<string, ComputedValue>;
  basis: Message[];
}

/** A rule reads the facts in time order, carrying its state from one to the next. */
export interface Rule<State> {
  start: State;
  step(state: State, moment: Moment, context: WatchContext): { state: State; finding: Finding | null };
  /**
   * The state after an alert of this kind was cleared at a point: what was evidence before must not
   * raise it again.
   */
  restart(state: State, clearedMs: number): State;
}
