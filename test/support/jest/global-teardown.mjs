export default async function globalTeardown() {
  // Here when all files ran in this process.
  await globalThis[Symbol.for('weephole.sharedService')]?.close();
  await globalThis.__weepholeTeardown?.();
}
