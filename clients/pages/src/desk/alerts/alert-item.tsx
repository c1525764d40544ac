import { Link } from 'wouter-preact';
import type { components } from '../../../../typescript/src/client.js';
import { Mark } from '../../kit/due/strip.js';
import { mayManage, mayWork } from '../../kit/service/me.js';
import { momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { vehicleAddress } from '../addresses.js';
import { ALERT_ACTIONS, type AlertAction } from '../decide/alert-questions.js';
import { message as todayMessage } from '../today/messages.js';
import { message } from './messages.js';

export type Alert = components['schemas']['LossAlertView'];

/** Terms of the trade, which every page can say. */
const named = (code: string): string => tell({ code, values: {} });

export const kindInWords = (kind: Alert['kind']): string => named(`alert-${kind}`);

/** `R-114, rising loss` */
export function alertInWords({ vehicle, kind, circuit }: Alert): string {
  const parts = [vehicle?.unitNumber, kindInWords(kind), circuit && named(`circuit-${circuit}`)];
  return parts.filter(Boolean).join(', ');
}

const SHAPES = { raised: 'late', acknowledged: 'due', shelved: 'window', cleared: 'not-due' } as const;

function actionsOf({ status, standing }: Alert): readonly AlertAction[] {
  if (!standing || status === 'cleared') return [];
  return ALERT_ACTIONS.filter(
    (action) =>
      (action === 'clear' ? mayManage() : mayWork()) &&
      (action !== 'acknowledge' || status !== 'acknowledged'),
  );
}

function Texts({ title, texts, isOrdered = false }: { title: string; texts: string[]; isOrdered?: boolean }) {
  if (texts.length === 0) return null;
  const items = texts.map((text, at) => <li key={`${at} ${text}`}>{text}</li>);
  return (
    <div>
      <h3>{title}</h3>
      {isOrdered ? <ol class="steps">{items}</ol> : <ul class="dots">{items}</ul>}
    </div>
  );
}

/** Its state, since when, and when it comes back. */
function Standing({ alert, timeZone }: { alert: Alert; timeZone: string }) {
  const { status, raisedAt, returned, standing, shelvedUntil, vehicle, members } = alert;
  const moment = (at: string) => momentInWords(at, timeZone);
  return (
    <p>
      <Mark state={SHAPES[status]} /> <strong>{tell(message(`desk-alerts-state-${status}`))}</strong>
      {'. '}
      {tell(message('desk-alerts-raised-since', { on: moment(raisedAt) }))}{' '}
      {returned && tell(message('desk-alerts-returned'))}{' '}
      {shelvedUntil !== null && tell(message('desk-alerts-comes-back', { at: moment(shelvedUntil) }))}{' '}
      {!standing && tell(message('desk-alerts-withdrawn'))}{' '}
      {vehicle === null && tell(message('desk-alerts-of-fleet', { count: members.length }))}
    </p>
  );
}

/** One alert: whose, which kind, why in words, with its figures, and what can be done. */
export function AlertItem({
  alert,
  timeZone,
  onWanted,
}: {
  alert: Alert;
  timeZone: string;
  onWanted: (action: AlertAction) => void;
}) {
  const { vehicle, checkNext, evidence, cautions } = alert;
  const what = alertInWords(alert);
  return (
    <li class="alert" data-alert={alert.id}>
      <h2>{vehicle === null ? what : <Link href={`~${vehicleAddress(vehicle.id)}`}>{what}</Link>}</h2>
      <Standing {...{ alert, timeZone }} />
      <p class="actions">
        {actionsOf(alert).map((action) => {
          const name = tell(todayMessage(`desk-today-${action}`));
          return (
            <button
              key={action}
              type="button"
              aria-label={tell(todayMessage('desk-today-action-for', { action: name, what }))}
              onClick={() => onWanted(action)}
            >
              {name}
            </button>
          );
        })}
      </p>
      <div class="why">
        <Texts
          title={tell(message('desk-alerts-evidence'))}
          texts={evidence.map(({ at, message: { text } }) => `${momentInWords(at, timeZone)}: ${text}`)}
        />
        <Texts
          title={tell(message('desk-alerts-check-next'))}
          texts={checkNext.map(({ text }) => text)}
          isOrdered
        />
        <Texts title={tell(message('desk-alerts-cautions'))} texts={cautions.map(({ text }) => text)} />
      </div>
    </li>
  );
}
