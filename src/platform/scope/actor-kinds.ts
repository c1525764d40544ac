/**
 * Who acted: the holder of a token, a person who signed in here or at the provider, a person who
 * ran a command, or the service itself.
 */
export const ACTOR_KINDS = ['token', 'person', 'sign-in', 'command', 'service'] as const;
export type ActorKind = (typeof ACTOR_KINDS)[number];
