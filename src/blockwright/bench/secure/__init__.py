"""What keeps strangers out and secrets in.

| module | subject |
| --- | --- |
| `headers` | the headers that every answer bears: what a page may load, who may frame it, what is stored |
| `doors` | by which name the bench may be asked for, and from which pages |
| `certificate` | the shop's own certificate authority, and the certificate of its server |
| `names` | the names and addresses by which this machine is reached |
| `plain_door` | the one thing handed out without encryption: the authority's certificate, while a tablet is being paired |
| `uploads` | photos: known by their content, cleaned of what they tell about place and time, handed out so that they can do nothing |
"""
