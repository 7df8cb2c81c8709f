// The small helps of the pages. Everything here is extra: each page and form
// works without it.
import { keepForms } from "./keep";
import { keyPad } from "./pad";
import { liveWaters } from "./waters";
import { liveWords } from "./word";
import { offerZone } from "./zone";

liveWords(document);
keyPad();
keepForms();
liveWaters(document);
offerZone(document);
