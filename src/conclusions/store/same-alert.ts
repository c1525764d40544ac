import type { StoredAlert } from '../../domain/conclusions/vehicle-history.js';
import type { LossAlertEpisode } from '../../domain/loss/facts/types.js';

/**
 * Whether an alert as it is stored says what was concluded. Shelving that has ended reads as raised
 * without being written.
 */
export function isSameAlert(
  stored: StoredAlert | undefined,
  episode: LossAlertEpisode,
  asOf: number,
): boolean {
  if (!stored?.isStanding) return false;
  const { status, shelvedUntil } = stored;
  const isOver = status === 'shelved' && shelvedUntil !== null && Date.parse(shelvedUntil) <= asOf;
  return (
    (isOver ? 'raised' : status) === episode.status &&
    stored.returned === episode.returned &&
    canonicalJson(stored.evidence) === canonicalJson(episode.evidence)
  );
}

/** JSON whose text does not depend on the order of fields, nor on the last bits of a number. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) => {
    if (typeof inner === 'number') return Number(inner.toPrecision(9));
    if (typeof inner !== 'object' || inner === null || Array.isArray(inner)) return inner;
    return Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
