import type { Message, MomentValue } from '../../domain/message.js';
import { shownMessage } from '../../platform/words/shown-messages.js';
import type { DeliveryTrouble } from './delivery-trouble.js';
import type { DeliveryTroubleView } from './delivery-trouble.dto.js';
import { message } from './messages.js';

/**
 * Returns an e-mail address, or the origin of a webhook's URL. Its path is left out, because it may
 * contain a password.
 */
export function placeOf({ kind, address }: { kind: string; address: string }): string {
  return kind === 'webhook' && URL.canParse(address) ? new URL(address).origin : address;
}

/** Like `placeOf`, for people who need not know the address: `m…@example.com`. */
function placeForOthers(target: { kind: string; address: string }): string {
  return placeOf(target).replace(/^(.)[^@]*@/, '$1…@');
}

/** Says what is wrong, since when, and what to do. */
export function troubleMessage(trouble: DeliveryTrouble, timeZone: string, placed = placeOf): Message {
  const { kind, since, until, target } = trouble;
  const place = target ? placed(target) : '';
  const at = momentOf(since, timeZone);
  switch (kind) {
    case 'nobody-hears':
      return nobodyHears(trouble, at);
    case 'target-disabled':
      return message('trouble-target-disabled', { place, at });
    case 'target-failing': {
      const reason = trouble.reason ?? message('target-no-answer');
      const check = target?.kind === 'email' ? 'address' : 'receiver';
      return message('trouble-target-failing', { place, at, reason, check });
    }
    case 'no-worker':
      if (until) return message('trouble-no-worker-then', { from: at, to: momentOf(until, timeZone) });
      return since === null ? message('trouble-no-worker') : message('trouble-no-worker-since', { at });
    case 'sweep-behind':
      return message('trouble-sweep-behind', { at });
    case 'reminders-behind':
      return message('trouble-reminders-behind', { at });
  }
}

function nobodyHears({ since, isOtherHeard }: DeliveryTrouble, at: MomentValue): Message {
  if (!isOtherHeard)
    return since === null ? message('trouble-no-target') : message('trouble-no-live-target', { at });
  return since === null
    ? message('trouble-nobody-hears-due')
    : message('trouble-nobody-hears-due-since', { at });
}

/**
 * The start of a trouble, to be shown in the fleet's local time. Empty when the start is not known.
 */
function momentOf(at: Date | null, timeZone: string): MomentValue {
  return { moment: at?.toISOString() ?? '', timeZone };
}

/** A trouble for an answer, with times in the fleet's time zone. */
export function troubleView(trouble: DeliveryTrouble, timeZone: string): DeliveryTroubleView {
  const { kind, since, target } = trouble;
  return {
    kind,
    since: since?.toISOString() ?? null,
    message: shownMessage(troubleMessage(trouble, timeZone)),
    reminderTarget: target,
  };
}

/**
 * Like `troubleView`, for messages. They go to other people, who need not know the whole address.
 */
export function troubleNotice(trouble: DeliveryTrouble, timeZone: string): DeliveryTroubleView {
  const { target } = trouble;
  return {
    ...troubleView(trouble, timeZone),
    message: shownMessage(troubleMessage(trouble, timeZone, placeForOthers)),
    reminderTarget: target && { ...target, address: placeForOthers(target) },
  };
}
