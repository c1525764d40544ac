import { canonicalJson } from '../../domain/canonical-json.js';
import type { StoredAlert } from '../../domain/conclusions/vehicle-history.js';
import type { LossAlertEpisode } from '../../domain/loss/facts/types.js';

/**
 * Whether a stored alert equals the concluded one. When shelving has ended, the stored alert counts
 * as raised without being rewritten.
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
