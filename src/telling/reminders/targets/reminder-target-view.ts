import { randomBytes } from 'node:crypto';
import { type News, type ReminderTarget, STAGES } from '../../../entities/reminder.entity.js';
import { SWITCHED_OFF } from '../../delivery-troubles/delivery-trouble.js';
import { shownMessage } from '../../../platform/words/shown-messages.js';
import type { ReminderTargetInput, ReminderTargetView } from './reminder-target.dto.js';

/** Standard Webhooks recommends 24 to 64 bytes. */
const SECRET_BYTES = 32;
const DEFAULT_NEWS: News[] = ['due-line', 'loss-alert', 'failed-reading', 'delivery-trouble'];
/** Only due lines are assigned to anybody. */
const DEFAULT_NEWS_OF_PERSON: News[] = ['due-line'];

/** Returns a new signing secret. */
export function newSecret(): string {
  return `whsec_${randomBytes(SECRET_BYTES).toString('base64')}`;
}

/** Returns the columns to store for an input. */
export function targetColumns(input: ReminderTargetInput) {
  const lowered = (ids: string[] | null | undefined): string[] => (ids ?? []).map((id) => id.toLowerCase());
  return {
    kind: input.kind,
    address: input.address.trim(),
    hears: input.hears ?? (input.personId == null ? DEFAULT_NEWS : DEFAULT_NEWS_OF_PERSON),
    stages: input.stages ?? [...STAGES],
    repeatLateDays: input.repeatLateDays ?? null,
    depotIds: lowered(input.depotIds),
    components: input.components ?? [],
    duties: input.duties ?? [],
    intervalPlanIds: lowered(input.intervalPlanIds),
    vehicleIds: lowered(input.vehicleIds),
    personId: input.personId?.toLowerCase() ?? null,
    digest: input.digest ?? ('each' as const),
    sendFrom: input.sendBetween?.from ?? null,
    sendTo: input.sendBetween?.to ?? null,
    urgent: input.urgent ?? ('at-any-hour' as const),
    language: input.language ?? null,
  };
}

/**
 * Returns whether the target is switched on. One that is already disabled keeps its date and
 * reason.
 */
export function targetStanding(input: ReminderTargetInput, before: ReminderTarget | null, now: Date) {
  if (input.enabled ?? true) return { disabledAt: null, disabledReason: null };
  return {
    disabledAt: before?.disabledAt ?? now,
    disabledReason: before?.disabledReason ?? SWITCHED_OFF,
  };
}

/**
 * Clears the record of failures and of the test when the address changes or the target is switched
 * on again: old failures say nothing about it.
 */
export function targetFailing(input: ReminderTargetInput, before: ReminderTarget) {
  const isTriedAnew = input.address.trim() !== before.address || before.disabledAt !== null;
  return isTriedAnew ? { failingSince: null, failingReason: null, testedAt: null } : {};
}

/** Returns the target in the form in which it would be posted. A patch is applied to this. */
export function targetInput(target: ReminderTarget): ReminderTargetInput {
  return {
    ...shared(target),
    sendBetween:
      target.sendFrom !== null && target.sendTo !== null
        ? { from: target.sendFrom, to: target.sendTo }
        : null,
    enabled: target.disabledAt === null,
  };
}

function shared(target: ReminderTarget) {
  const { kind, address, hears, stages, repeatLateDays, depotIds, components, digest } = target;
  const { duties, intervalPlanIds, vehicleIds, personId, urgent, language } = target;
  return {
    ...{ kind, address, hears, stages, repeatLateDays, depotIds, components },
    ...{ duties, intervalPlanIds, vehicleIds, personId, digest, urgent, language },
  };
}

export function targetView(target: ReminderTarget): ReminderTargetView {
  const { sendBetween, enabled } = targetInput(target);
  return {
    id: target.id,
    ...shared(target),
    sendBetween: sendBetween ?? null,
    enabled: enabled ?? true,
    disabledAt: target.disabledAt?.toISOString() ?? null,
    disabledReason: target.disabledReason && shownMessage(target.disabledReason),
    failingSince: target.failingSince?.toISOString() ?? null,
    failingReason: target.failingReason && shownMessage(target.failingReason),
    previousSecretUntil: target.previousSecretUntil?.toISOString() ?? null,
    version: target.version,
    createdAt: target.createdAt.toISOString(),
  };
}
