// What every page does.
import "./ground_switch.js";
import { watch } from "./news.js";

watch();
