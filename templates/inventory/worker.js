{% load static %}importScripts("{% static 'site/vendor/idb.umd.js' %}", "{% static 'site/stall-worker.js' %}");
