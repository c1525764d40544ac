/**
 * Who acted: the holder of a token, of a sign-in from elsewhere, whoever ran a command, or the
 * service by itself.
 */
export const ACTOR_KINDS = ['token', 'sign-in', 'command', 'service'] as const;
export type ActorKind = (typeof ACTOR_KINDS)[number];
