/**
 * Posted content, wrapped for the presenter. It is kept as JSON text, in which nothing can look
 * like a measure or a message.
 */
interface Posted {
  readonly posted: string;
}

/**
 * Wraps content that a client posted and gets back unchanged. The presenter does not look into it,
 * because it may look like a measure or a message.
 */
export function asPosted(value: unknown): unknown {
  return value === undefined ? undefined : ({ posted: JSON.stringify(value) } satisfies Posted);
}

/** Whether something was wrapped by `asPosted`. */
export function isPosted(candidate: object): candidate is Posted {
  return (
    Object.hasOwn(candidate, 'posted') &&
    Object.keys(candidate).length === 1 &&
    typeof (candidate as Posted).posted === 'string'
  );
}

/** Unwraps posted content. Anything else with the same shape stays as it is. */
export function unwrapped(wrapped: Posted): unknown {
  try {
    return JSON.parse(wrapped.posted);
  } catch {
    return wrapped;
  }
}
