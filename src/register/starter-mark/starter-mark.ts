import type { Message } from '../../domain/message.js';
import { conflict, type Problem } from '../../platform/problems/problem.js';
import type { ActorKind } from '../../platform/scope/actor-kinds.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import { message } from './messages.js';
import type { StarterMarkView } from './starter-mark.dto.js';

/** What a sheet or plan keeps of the ready-made set that it came from. */
export interface StarterColumns {
  starterSet: string | null;
  confirmedAt: Date | null;
  confirmedByKind: string | null;
  confirmedBy: string | null;
}

/** Those of a sheet or plan that is from no set. */
export const FROM_NO_SET: StarterColumns = {
  ...{ starterSet: null, confirmedAt: null, confirmedByKind: null, confirmedBy: null },
};

/**
 * Shows what is still ready-made of a sheet or plan.
 *
 * @param unconfirmed pointers of what is neither confirmed nor changed
 * @param note what is said while there is any
 */
export function starterMark(
  { starterSet, confirmedAt, confirmedByKind, confirmedBy }: StarterColumns,
  unconfirmed: string[],
  note: Message,
): StarterMarkView | null {
  if (starterSet === null) return null;
  const by = { kind: confirmedByKind as ActorKind, id: confirmedBy ?? '' };
  return {
    set: starterSet,
    unconfirmed,
    confirmed: confirmedAt === null ? null : { at: confirmedAt.toISOString(), by },
    note: unconfirmed.length === 0 ? null : shownMessage(note),
  };
}

/** The columns of a confirmation by whoever acts now. */
export function confirmedNow(now: Date): Omit<StarterColumns, 'starterSet'> {
  const { actor } = fleetScope();
  return {
    confirmedAt: now,
    confirmedByKind: actor?.kind ?? 'service',
    confirmedBy: actor?.id ?? 'service',
  };
}

/** The answer where there is nothing to confirm. */
export const notReadyMade = (what: 'sheet' | 'plan'): Problem =>
  conflict('not-ready-made', message('not-ready-made', { what }));
