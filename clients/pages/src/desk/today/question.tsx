import type { Me } from '../../kit/service/me.js';
import { ActOnAlert } from '../decide/alert-questions.js';
import { CancelVisit } from '../decide/cancel-visit.js';
import { DismissDefect, TakeUpDefect } from '../decide/defect-questions.js';
import { PutOff } from '../due/put-off.js';
import { AcceptReading, DiscardReading } from '../decide/usage-questions.js';
import { alertOf, type Link, type Matter, reportedAs, workOf } from './matters.js';

/** An action that somebody wants to take. */
export interface Wanted {
  link: Link;
  matter: Matter;
  /** Nothing: it is about no single vehicle. */
  unit: string | null;
}

/** `/v1/visits/<id>/cancel` */
const visitOf = ({ path }: Link): string => path.split('/')[3] ?? '';

/**
 * Asks what an action needs, and takes it.
 *
 * @param onClose gets what was done, `''` where that has been said already; null: nothing
 */
export function Question({
  wanted: { link, matter, unit: of },
  me,
  onClose,
}: {
  wanted: Wanted;
  me: Me;
  onClose: (said: string | null) => void;
}) {
  const { id } = matter;
  const unit = of ?? '';
  const defect = { ...{ id, unit, onClose }, what: reportedAs(matter), decidedBy: me.person?.name ?? '' };
  switch (link.action) {
    case 'postpone':
      return (
        <PutOff
          lines={[{ id, unit, work: workOf(matter) }]}
          onClose={(put) => onClose(put.length > 0 ? '' : null)}
        />
      );
    case 'acknowledge':
    case 'shelve':
    case 'clear': {
      const what = of === null ? alertOf(matter) : `${of}, ${alertOf(matter)}`;
      return <ActOnAlert action={link.action} {...{ id, what, timeZone: me.timeZone, onClose }} />;
    }
    case 'accept':
      return <AcceptReading {...{ id, unit, onClose }} />;
    case 'discard':
      return <DiscardReading {...{ id, unit, onClose }} />;
    case 'triage':
      return <TakeUpDefect {...defect} />;
    case 'dismiss':
      return <DismissDefect {...defect} />;
    case 'cancel-visit':
      return <CancelVisit id={visitOf(link)} {...{ unit, onClose }} />;
    default:
      return null;
  }
}
