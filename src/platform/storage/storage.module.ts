import { Inject, Module, type OnApplicationShutdown } from '@nestjs/common';
import { Config } from '../config/config.js';
import { FileStore } from './file-store.js';
import { IncomingFiles } from './incoming-files.js';
import { openFileStore } from './open-file-store.js';

/** Stores files in a bucket if one is set, otherwise in a directory. */
@Module({
  providers: [
    {
      provide: FileStore,
      inject: [Config],
      useFactory: ({ attachments }: Config): Promise<FileStore> => openFileStore(attachments),
    },
    IncomingFiles,
  ],
  exports: [FileStore, IncomingFiles],
})
export class StorageModule implements OnApplicationShutdown {
  constructor(@Inject(FileStore) private readonly store: FileStore) {}

  onApplicationShutdown(): void {
    this.store.close();
  }
}
