import { canonicalJson } from '../../domain/canonical-json.js';
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
