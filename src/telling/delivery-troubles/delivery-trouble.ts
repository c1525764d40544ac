import type { Message } from '../../domain/message.js';
import type { TargetKind } from '../../entities/reminder.entity.js';
import { message } from './messages.js';

/** Reasons why a fleet's reminders may be late or missing. */
export const DELIVERY_TROUBLES = [
  'nobody-hears',
  'target-disabled',
  'target-failing',
  'no-worker',
  'sweep-behind',
  'reminders-behind',
] as const;
export type DeliveryTroubleKind = (typeof DELIVERY_TROUBLES)[number];

/** Why a target was disabled: its receiver answered 410. */
export const GONE = message('target-gone');
/** Why a target was disabled: a manager switched it off. */
export const SWITCHED_OFF = message('target-switched-off');
/** SQL condition: the receiver of target `t` answered 410. */
export const IS_GONE = `t.disabled_at is not null and t.disabled_reason->>'code' = '${GONE.code}'`;

/** A worker not seen for this long is gone. Workers report every 2 s. */
export const NO_WORKER_AFTER = '2 minutes';
/** Work that has waited for this long is behind. Normally it is done within seconds. */
export const BEHIND_AFTER = '5 minutes';

/** A current trouble, or a past one when `until` is set. */
export interface DeliveryTrouble {
  kind: DeliveryTroubleKind;
  /** Null when it has always been so, or the start is not known. */
  since: Date | null;
  /** Set when the trouble is over: the notice came afterwards. */
  until?: Date;
  /** How the last attempts of a failing target ended. */
  reason: Message | null;
  /** For `nobody-hears`: whether a live target receives other news. */
  isOtherHeard?: boolean;
  target: { id: string; kind: TargetKind; address: string } | null;
}
