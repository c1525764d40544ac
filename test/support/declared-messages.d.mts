/** Returns all declared messages: code → the file that declares it, and its parameters. */
export function declaredMessages(
  onTwice?: (file: string, code: string, earlier: string) => void,
): Promise<Map<string, { file: string; parameters: Readonly<Record<string, unknown>> }>>;
