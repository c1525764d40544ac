import { Module } from '@nestjs/common';
import { DepotsModule } from './depots/depots.module.js';

/** What the API is made of. */
@Module({ imports: [DepotsModule] })
export class ApiModule {}
