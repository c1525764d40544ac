import type { Message } from '../../domain/message.js';
import type { TargetKind } from '../../entities/reminder.entity.js';
import { message } from './messages.js';

/** Why reminders of a fleet may be late or not arriving. */
export const DELIVERY_TROUBLES = [
  'nobody-hears',
  'target-disabled',
  'target-failing',
  'no-worker',
  'sweep-behind',
  'reminders-behind',
] as const;
export type DeliveryTroubleKind = (typeof DELIVERY_TROUBLES)[number];

/** Why a target is disabled whose receiver answered 410. */
export const GONE = message('target-gone');
/** Why a target is disabled that a manager switched off. */
export const SWITCHED_OFF = message('target-switched-off');
/** A target `t` whose receiver answered 410, as SQL. */
export const IS_GONE = `t.disabled_at is not null and t.disabled_reason->>'code' = '${GONE.code}'`;

/** A worker signs every 2 s; who has not been seen for so long is gone. */
export const NO_WORKER_AFTER = '2 minutes';
/** What is told within seconds when all is well. */
export const BEHIND_AFTER = '5 minutes';

/** A trouble as it stands. */
export interface DeliveryTrouble {
  kind: DeliveryTroubleKind;
  /** Null where it has always been so, or nothing says since when. */
  since: Date | null;
  /** Set where the trouble is in the past: a notice of it came late. */
  until?: Date;
  /** How a failing target's last attempts went. */
  reason: Message | null;
  /** With `nobody-hears`: whether a live target hears of other things. */
  isOtherHeard?: boolean;
  target: { id: string; kind: TargetKind; address: string } | null;
}
