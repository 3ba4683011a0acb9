import { command, progress } from './command';
import { poolForm } from './poolForm';

await command((args) => poolForm(args, progress));
