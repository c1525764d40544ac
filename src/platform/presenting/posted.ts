/** What a client posted, on its way out. Its JSON is a text, in which nothing looks like ours. */
interface Posted {
  readonly posted: string;
}

/**
 * Wraps content that a client posted and gets back as it was. The presenter does not look into it:
 * it may look like a measure or a message.
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

/** Unwraps what was posted; anything else under that name stays as it is. */
export function unwrapped(wrapped: Posted): unknown {
  try {
    return JSON.parse(wrapped.posted);
  } catch {
    return wrapped;
  }
}
