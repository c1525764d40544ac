export default async function globalTeardown() {
  // Set in this process when all files ran in it.
  await globalThis[Symbol.for('weephole.sharedService')]?.close();
  await globalThis.__weepholeTeardown?.();
}
