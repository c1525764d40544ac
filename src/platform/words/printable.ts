const UNPRINTABLE = /[\p{Cc}\p{Bidi_Control}]+/gu;

/**
 * Puts a space in place of control characters and of marks that change the direction of writing:
 * such a mark in a name would rearrange the text beside it.
 */
export function printable(text: string): string {
  return text.replaceAll(UNPRINTABLE, ' ');
}
