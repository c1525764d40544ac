import { Module } from '@nestjs/common';
import { MeController } from './me.controller.js';
import { MeService } from './me.service.js';
import { PeopleController } from './people.controller.js';
import { PeopleService } from './people.service.js';

@Module({ controllers: [PeopleController, MeController], providers: [PeopleService, MeService] })
export class PeopleModule {}
