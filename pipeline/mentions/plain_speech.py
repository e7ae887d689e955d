"""Words of plain speech, by what they tell of the words beside them; common practice, no source."""

# A misheard name neither starts nor ends with one of these: windows that do are not looked up.
_PLAIN_SPEECH_WORDS = """
a an the and or but if so as of to in on at for with from by into onto up down out off over back under
through is are was were be been am do does did done have has had get got gets grab go goes going gone come
comes came make makes made take takes took give gives gave keep keeps let let's i you we he she it they me
him her us them my your our his its their this that these those there here what when where who why how all
any each every some no not don't it's that's you're we're i'm they're we've you've i've i'll you'll we'll
he's she's there's what's can can't could would should will won't may might must just now then than too
very more most much many other another first second third last next right left both same nice good great
lovely okay yes yeah please thank thanks like little bit lot really still again only even also because
which whose while until before after about around
"""
PLAIN_SPEECH = frozenset(_PLAIN_SPEECH_WORDS.split())
# Words that are nearly always a number.
_NUMBERS_WORDS = """
one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen eighteen
twenty thirty forty fifty sixty hundred
"""
NUMBERS = frozenset(_NUMBERS_WORDS.split())
# What a recogniser writes for letters that are spoken ("are dee ells").
_SOUNDS_LIKE_A_LETTER_WORDS = """
are our ar see sea you be bee tea tee why eye oh ex jay kay el em en
"""
SOUNDS_LIKE_A_LETTER = frozenset(_SOUNDS_LIKE_A_LETTER_WORDS.split())
# What stands right before a name that is announced.
_LEADING_IN_WORDS = """
the a an our your my some these those another next into onto for with it's its is are now okay so called
to of do doing by then and got have on
"""
LEADING_IN = frozenset(_LEADING_IN_WORDS.split())
