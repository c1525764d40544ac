import type { JobCardView } from '../card/job-card.dto.js';
import type { Row } from './card-row.js';
import { message } from './messages.js';
import type { Wording } from './wording.js';

/** The open defects in the words of those who reported them, and which of them hold the vehicle. */
export function defectRows({ defects }: JobCardView, { say, on, date }: Wording): Row[] {
  return defects.map(({ what, source, driving, dueOn, reportedAt }) => ({
    box: true,
    text: say(message('card-page-defect', { source, what })),
    value: say(
      message('card-page-defect-state', {
        driving: driving === 'not-held' ? 'free' : driving,
        date: on(reportedAt),
        dated: dueOn === null ? 'no' : 'yes',
        by: dueOn === null ? '' : date(dueOn),
      }),
    ),
  }));
}
