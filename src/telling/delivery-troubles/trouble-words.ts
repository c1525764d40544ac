import { Temporal } from 'temporal-polyfill';
import type { DeliveryTrouble } from './delivery-trouble.js';
import type { DeliveryTroubleView } from './delivery-trouble.dto.js';

const MONTHS = [
  ...['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October'],
  ...['November', 'December'],
];

/** `2 April 2026, 14:02`, by the clocks of the fleet. */
function moment(at: Date, timeZone: string): string {
  const local = Temporal.Instant.fromEpochMilliseconds(at.getTime()).toZonedDateTimeISO(timeZone);
  const time = local.toPlainTime().toString({ smallestUnit: 'minute' });
  return `${local.day} ${MONTHS[local.month - 1]} ${local.year}, ${time}`;
}

/** An e-mail address; of a webhook where it goes, without what may be a password in its path. */
export function placeOf({ kind, address }: { kind: string; address: string }): string {
  return kind === 'webhook' && URL.canParse(address) ? new URL(address).origin : address;
}

/** As `placeOf`, for who need not know the address: `m…@example.com`. */
function placeForOthers(target: { kind: string; address: string }): string {
  return placeOf(target).replace(/^(.)[^@]*@/, '$1…@');
}

const ASK = 'ask whoever runs the service to look at the worker and its log';

/** What is wrong, since when, and what to do. */
export function troubleText(trouble: DeliveryTrouble, timeZone: string, placed = placeOf): string {
  const { kind, since, until, reason, target } = trouble;
  const at = since && moment(since, timeZone);
  const place = target ? placed(target) : 'a target';
  switch (kind) {
    case 'nobody-hears':
      return reason === null
        ? `Nobody is told when work comes due: ${at ? `since ${at} no reminder target is live` : 'there is no reminder target yet'}. Add a webhook or an e-mail address, or enable a target again.`
        : `Nobody is told when work comes due: no enabled reminder target is told about due lines${at ? ` since ${at}` : ''}. Add \`due-line\` to the \`hears\` list of one of them.`;
    case 'target-disabled':
      return `${place} answered 410 Gone, so nothing has been sent to it since ${at}. Fix the receiver and enable the target again, or remove it.`;
    case 'target-failing':
      return `Reminders have not reached ${place} since ${at}: ${reason}. Check the ${target?.kind === 'email' ? 'address' : 'receiver'}, then send the target a test message.`;
    case 'no-worker':
      if (until)
        return `No worker of the service ran from ${at} to ${moment(until, timeZone)}, so reminders from that time are late.`;
      return `${at ? `The service's worker has not been seen since ${at}` : 'No worker of the service is running'}, so no reminder goes out. Ask whoever runs the service to start one.`;
    case 'sweep-behind':
      return `Changes since ${at} have not been checked for reminders yet, so reminders are late. If that lasts, ${ASK}.`;
    case 'reminders-behind':
      return `Reminders that should have gone out at ${at} are still waiting. If that lasts, ${ASK}.`;
  }
}

/** A trouble as readers see it, with the time as the fleet's clocks show it. */
export function troubleView(trouble: DeliveryTrouble, timeZone: string): DeliveryTroubleView {
  const { kind, since, target } = trouble;
  return {
    kind,
    since: since?.toISOString() ?? null,
    text: troubleText(trouble, timeZone),
    reminderTarget: target,
  };
}

/** As `troubleView`, for messages: they go to others, who need not know the whole address. */
export function troubleNotice(trouble: DeliveryTrouble, timeZone: string): DeliveryTroubleView {
  const { target } = trouble;
  return {
    ...troubleView(trouble, timeZone),
    text: troubleText(trouble, timeZone, placeForOthers),
    reminderTarget: target && { ...target, address: placeForOthers(target) },
  };
}
