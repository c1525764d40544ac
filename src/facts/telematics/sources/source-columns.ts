import type { Message } from '../../../domain/message.js';
import type { Intake, SourceKind, TelematicsSource } from '../../../entities/telematics-source.entity.js';
import { webAddressFault } from '../../../platform/outbound/address-guard.js';
import type { FieldFault } from '../../../platform/problems/problem.js';
import { shownMessage } from '../../../platform/words/shown-messages.js';
import { message } from '../messages.js';
import {
  DEFAULT_MINUTES,
  type IntakeView,
  type SourceSignIn,
  type SourceState,
  type TelematicsSourceInput,
  type TelematicsSourceView,
} from './telematics-source.dto.js';

/** Returns the columns to store for an input. */
export function sourceColumns(input: TelematicsSourceInput, before: Date | null, now: Date) {
  const isPolled = input.kind !== 'push';
  const { kind = 'none', userName, secret, tokenAddress, scope } = input.signIn ?? {};
  return {
    ...{ name: input.name.trim(), kind: input.kind, address: input.address?.trim() ?? null, signIn: kind },
    ...{ userName: userName ?? null, secret: secret ?? null, scope: scope ?? null },
    tokenAddress: tokenAddress?.trim() ?? null,
    everyMinutes: isPolled ? (input.everyMinutes ?? DEFAULT_MINUTES) : null,
    withFaults: input.withFaults ?? false,
    pausedAt: input.paused ? (before ?? now) : null,
  };
}

/** Returns the source in the form in which it would be posted. A patch is applied to this. */
export function sourceInput(source: TelematicsSource): TelematicsSourceInput {
  const { name, kind, address, signIn, userName, secret, tokenAddress, scope } = source;
  const { everyMinutes, withFaults, pausedAt } = source;
  return {
    ...{ name, kind, address, everyMinutes, withFaults, paused: pausedAt !== null },
    signIn: signIn === 'none' ? null : { kind: signIn, userName, secret, tokenAddress, scope },
  };
}

/** The fields that each way of signing in needs, and no others. */
const SIGN_IN_FIELDS: Record<string, { needed: (keyof SourceSignIn)[]; possible: (keyof SourceSignIn)[] }> = {
  none: { needed: [], possible: [] },
  basic: { needed: ['userName', 'secret'], possible: [] },
  bearer: { needed: ['secret'], possible: [] },
  oauth2: { needed: ['userName', 'secret', 'tokenAddress'], possible: ['scope'] },
};

/** What is wrong with an input beyond its single fields. */
export function sourceFaults(input: TelematicsSourceInput, allowLocal: boolean): FieldFault[] {
  const faults: FieldFault[] = [];
  const fault = (pointer: string, detail: Message): void => void faults.push({ pointer, detail });
  const { kind, address, signIn, withFaults } = input;
  if (kind === 'push') {
    for (const field of ['address', 'signIn', 'everyMinutes'] as const)
      if (input[field] != null) fault(`/${field}`, message('source-field-unused', { kind }));
  } else if (address == null) fault('/address', message('source-field-needed', { kind }));
  else addressFault('/address', address, allowLocal, fault);
  if (withFaults && kind !== 'iso-15143-3') fault('/withFaults', message('source-faults-only-iso'));
  if (signIn != null && kind !== 'push') signInFaults(signIn, allowLocal, fault);
  return faults;
}

type Fault = (pointer: string, detail: Message) => void;

function addressFault(pointer: string, address: string, allowLocal: boolean, fault: Fault): void {
  const detail = webAddressFault(address.trim(), allowLocal);
  if (detail) fault(pointer, detail);
}

/** What a header can carry without being quoted; RFC 6750, 2.1 allows less. */
const BEARER_TOKEN = /^[\x21-\x7e]+$/;

function signInFaults(signIn: SourceSignIn, allowLocal: boolean, fault: Fault): void {
  const { needed = [], possible = [] } = SIGN_IN_FIELDS[signIn.kind] ?? {};
  for (const field of ['userName', 'secret', 'tokenAddress', 'scope'] as const) {
    const isGiven = signIn[field] != null;
    if (needed.includes(field) && !isGiven)
      fault(`/signIn/${field}`, message('source-field-needed', { kind: signIn.kind }));
    else if (isGiven && !needed.includes(field) && !possible.includes(field))
      fault(`/signIn/${field}`, message('source-field-unused', { kind: signIn.kind }));
  }
  if (signIn.kind === 'bearer' && signIn.secret != null && !BEARER_TOKEN.test(signIn.secret))
    fault('/signIn/secret', message('source-secret-not-sendable'));
  if (signIn.kind === 'basic' && signIn.userName?.includes(':'))
    fault('/signIn/userName', message('source-user-name-colon'));
  if (signIn.kind === 'oauth2' && signIn.tokenAddress != null)
    addressFault('/signIn/tokenAddress', signIn.tokenAddress, allowLocal, fault);
}

const originOf = (address: string | null | undefined): string | null =>
  address != null && URL.canParse(address) ? new URL(address).origin : null;

/**
 * Whether a change would send a kept secret to another server. Whoever makes it must know the
 * secret.
 */
export function movesSecret(before: TelematicsSource, input: TelematicsSourceInput, patch: unknown): boolean {
  if (before.secret === null || input.signIn?.secret !== before.secret) return false;
  const given = (patch as { signIn?: { secret?: unknown } } | null)?.signIn?.secret;
  if (given != null) return false;
  return (
    originOf(before.address) !== originOf(input.address) ||
    originOf(before.tokenAddress) !== originOf(input.signIn.tokenAddress)
  );
}

function stateOf(source: TelematicsSource, now: Date): SourceState {
  if (source.pausedAt !== null) return 'paused';
  if (source.polledUntil !== null && source.polledUntil > now) return 'polling';
  if (source.failure !== null) return 'failing';
  return source.lastSuccessAt === null ? 'waiting' : 'working';
}

export function intakeView(intake: Intake): IntakeView {
  return {
    ...intake,
    refusals: intake.refusals.map(({ why, ...refusal }) => ({ ...refusal, why: shownMessage(why) })),
  };
}

const MS_PER_MINUTE = 60_000;
const iso = (at: Date | null): string | null => at?.toISOString() ?? null;

export function sourceView(source: TelematicsSource, now: Date): TelematicsSourceView {
  const { id, name, kind, address, everyMinutes, withFaults, version, newestAt } = source;
  const { userName, tokenAddress, scope, signIn, secret } = source;
  return {
    ...{ id, name, kind: kind satisfies SourceKind, address, everyMinutes, withFaults, version },
    signIn: { kind: signIn, userName, hasSecret: secret !== null, tokenAddress, scope },
    paused: source.pausedAt !== null,
    state: stateOf(source, now),
    lastSuccessAt: iso(source.lastSuccessAt),
    failingSince: iso(source.failingSince),
    failure: source.failure && shownMessage(source.failure),
    nextPollAt: source.pausedAt === null ? iso(source.nextPollAt) : null,
    newestAt: iso(newestAt),
    lagMinutes: newestAt && Math.max(0, Math.floor((now.getTime() - newestAt.getTime()) / MS_PER_MINUTE)),
    lastIntake: source.lastIntake && intakeView(source.lastIntake),
    createdAt: source.createdAt.toISOString(),
  };
}
