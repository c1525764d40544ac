import type { TargetKind } from '../../entities/reminder.entity.js';

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

/**
 * Why a target is disabled whose receiver answered 410. It is stored, and looked for: other words
 * need a migration.
 */
export const GONE = 'The receiver answered 410 Gone: it wants no more of this.';
/** Why a target is disabled that a manager switched off; stored likewise. */
export const SWITCHED_OFF = 'Switched off by a manager.';

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
  /** How a failing target's last attempts went; of `nobody-hears`, what the live targets do. */
  reason: string | null;
  target: { id: string; kind: TargetKind; address: string } | null;
}
