import { command, progress } from './command';
import { reduceForm } from './reduceForm';

await command((args) => reduceForm(args, progress));
